import { mount } from "svelte";
import App from "./App.svelte";
import { book } from "./screens/book.svelte";
import { names } from "./screens/names.svelte";
import { phone } from "./screens/phone.svelte";
import { here } from "./screens/route.svelte";
import { fetchEarly } from "./screens/sheets";
import { update } from "./screens/update.svelte";
import { openDrafts } from "./shelf/drafts";
import { chosen } from "./shelf/settings";
import "./style/tokens.css";
import "./style/base.css";

/**
 * Not awaited where it is called: whatever is fetched later rests on the file that this one is built
 * into, and would wait for all that is awaited here, be it an office that does not answer.
 */
async function start(target: HTMLElement): Promise<void> {
  fetchEarly(here.route.sheet);
  await Promise.all([book.open(), names.open(), phone.open(), openDrafts(Date.now())]);
  mount(App, { target });
  phone.watch();
  await Promise.all([book.meet(), update.watch()]);
  if (book.who && !phone.own) await names.learn();
  // Whoever asked for notices on this phone has them again, where the browser let them go.
  if (phone.own && chosen("push")) {
    await import("./screens/reminders/push.svelte").then(({ renew }) => renew());
  }
}

const target = document.getElementById("app");
if (target) void start(target);
