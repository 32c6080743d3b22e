"""Widgets, dialogs and looks that pages are made of; they know no page and no app."""
