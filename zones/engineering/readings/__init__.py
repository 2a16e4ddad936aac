"""What a reading taken on site must be by the record of this very thing, and what it looks like when it is not."""
