/** Sending and fetching beside the page, so that no screen ever waits for it. */
import { courier } from "./courier";

const here = courier();

const acts = { go: () => here.kick(), fold: () => here.fold(), glance: () => here.glance() };

self.onmessage = ({ data }: MessageEvent<keyof typeof acts>) => void acts[data]();
self.postMessage("ready");
