const UNSEEN_MS = 500;

/** When the next frame is on the screen; a page that nobody sees draws none, and goes on soon. */
export function drawn(): Promise<void> {
  return new Promise((done) => {
    setTimeout(done, UNSEEN_MS);
    requestAnimationFrame(() => {
      setTimeout(done, 0);
    });
  });
}
