"""The restore drill: a book that is in use is lost with its computer, and comes back whole."""
