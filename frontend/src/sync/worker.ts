/** Sending and fetching beside the page, so that no screen ever waits for it. */
import { courier } from "./courier";

const here = courier();

self.onmessage = () => void here.kick();
self.postMessage("ready");
