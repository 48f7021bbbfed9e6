"""What a step of the shop's work sheet is made of: numbers, boxes to write in, parts, cautions."""
