"""What may be typed into the hand calculators, one file for each."""
