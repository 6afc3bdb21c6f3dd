"""Cameras, and what each sample of a picture sees."""
