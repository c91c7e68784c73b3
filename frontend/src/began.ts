/** When the app's own script began, for whoever measures a start: the first that the entry loads. */
performance.mark("began");
