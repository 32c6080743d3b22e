"""Commands on saved fans: list, home, card, drawing, reasons, comparison, export, delete."""
