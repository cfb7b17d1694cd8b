"""What is printed for a workshop."""
