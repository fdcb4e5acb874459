"""What answers are given with: fields, answers by digit, lists with a mark."""
