"""The demo plant: an invented works whose history holds truths to be found."""
