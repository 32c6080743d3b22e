"""Candidate wirings: generated, what each would show, which are left."""
