"""What leaves the program: text for the terminal and documents on paper."""
