"""Say what a number is: joint draws and their summary, text and units, published sources by key."""
