"""Mails to people: a certificate is there, an inspection falls due, smoke control is impaired."""
