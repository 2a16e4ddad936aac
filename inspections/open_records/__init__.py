"""A whole building in open formats: records as JSON that another register takes over, and lists for other programs."""
