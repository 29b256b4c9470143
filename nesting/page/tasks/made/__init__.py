"""What is done with a plan that is made: moved by hand, chosen anew, cut, printed."""
