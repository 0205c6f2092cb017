// Labels: the preview follows what is chosen.
