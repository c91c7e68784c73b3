import "./began";
import { mount } from "svelte";
import App from "./App.svelte";
import { drawn } from "./parts/drawn";
import { speech } from "./parts/speech.svelte";
import { book } from "./screens/book.svelte";
import { glimpse } from "./screens/glimpse.svelte";
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
  const { sheet, id } = here.route;
  book.begin();
  fetchEarly(sheet);
  const seen = sheet !== "who" && glimpse.take();
  if (phone.own) phone.readEarly(phone.own.copy, sheet === "batch" ? id : null);
  const opened = Promise.all([book.open(), names.open(), phone.open(seen), openDrafts(Date.now())]);
  if (!seen) await opened;
  mount(App, { target, props: { opened } });
  await opened;
  glimpse.over();
  // What a person waits for is drawn before anything is asked of the office.
  await drawn();
  phone.watch();
  await Promise.all([book.meet(), update.watch(), speech.whole().catch(() => undefined)]);
  if (book.who && !phone.own) await names.learn();
  // Whoever asked for notices on this phone has them again, where the browser let them go.
  if (phone.own && chosen("push")) {
    await import("./screens/reminders/push.svelte").then(({ renew }) => renew());
  }
}

const target = document.getElementById("app");
if (target) void start(target);
