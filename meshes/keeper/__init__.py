"""The breakwater keeper: a figure sculpted with signed distance fields."""
