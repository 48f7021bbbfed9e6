"""What measuring found, in lines of eighty columns and in pictures."""
