"""What is decided on the facts, and why: status, schemes, cautions, second looks, evidence."""
