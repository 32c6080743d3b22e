"""What is known of a fan or a home, on paper: text, Markdown, one page of HTML."""
