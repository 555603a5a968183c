"""What can be bought and what it is made of: screws, dowels, sheets and balls, read from resources/."""
