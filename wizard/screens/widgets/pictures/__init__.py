"""What stands beside the words of a step: its drawings, and its warnings over them."""
