"""What is printed for residents: advice, letters about objections, the sheet for the refrigerator door."""
