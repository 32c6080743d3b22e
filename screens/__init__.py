"""What a person sees: Textual screens. No reasoning."""
