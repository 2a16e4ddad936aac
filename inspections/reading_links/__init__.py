"""Links by which an insurer or an authority reads one certificate or one hand-over without a log-in."""
