"""Small systems made in one step: their descriptions, what is asked, what is made of the answers."""
