"""Pictures, sheets and reports that people look at."""
