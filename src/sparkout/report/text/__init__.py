"""What the terminal shows: plain lines of at most eighty columns."""
