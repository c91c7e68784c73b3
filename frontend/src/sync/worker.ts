/** Sending and fetching beside the page, so that no screen ever waits for it. */
import { courier } from "./courier";

const here = courier();

self.onmessage = ({ data }: MessageEvent<"go" | "fold">) =>
  void (data === "fold" ? here.fold() : here.kick());
self.postMessage("ready");
