// Shows what was checked, and only that: the words come out of the signed part, as texts.

/** An element with its texts and elements inside; no markup of the file's is ever read. */
function make(tag, { text, ...attributes } = {}, ...inside) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
  if (text !== undefined) element.textContent = text;
  element.append(...inside.filter((one) => one !== null));
  return element;
}

let language = "en";

function say(key, holes = {}) {
  const sentence = (WORDS[language] ?? WORDS.en)[key] ?? key;
  return sentence.replace(/\{(\w+)\}/g, (whole, name) => String(holes[name] ?? whole));
}

function partInWords(fault) {
  const [part, ...name] = fault.split(" ");
  return say(`part.${part}`, { name: name.join(" ") });
}

/** `2031-05-04 08:00 UTC`, which reads alike in every language. */
const instant = (text) => text.replace("T", " ").replace(/:\d\d\.\d+Z$/, " UTC");

function verdict(found, ...more) {
  const holds = found.faults.length === 0;
  const box = make("div", {});
  box.append(...more, make("strong", { text: say(holds ? "holds" : "broken") }));
  if (holds) box.append(make("p", { text: say("did", { ...found, at: instant(found.at) }) }));
  else {
    const parts = found.faults.map((one) => make("li", { text: partInWords(one) }));
    box.append(make("p", { text: say("which") }), make("ul", {}, ...parts));
  }
  if (found.fingerprint) {
    const key = make("p", { text: `${say("key")} ` });
    key.append(make("span", { class: "print", text: found.fingerprint }));
    box.append(key, make("p", { text: say("compare") }));
  }
  return box;
}

function table({ columns, rows, wide }, { total = false, figures = false } = {}) {
  const isFigure = (at) => figures && at > 0;
  const heads = columns.map((text, at) =>
    make("th", { text, scope: "col", ...(isFigure(at) ? { class: "n" } : {}) }),
  );
  const body = rows.map((row, i) => {
    const cells = row.map((text, at) => {
      const kind = isFigure(at) ? "n" : at !== wide && text.length < 18 ? "keep" : "";
      return make("td", { text, class: kind, "data-of": columns[at] ?? "" });
    });
    return make("tr", total && i === rows.length - 1 ? { class: "total" } : {}, ...cells);
  });
  const whole = make("table", {});
  if (columns.length > 0) whole.append(make("thead", {}, make("tr", {}, ...heads)));
  whole.append(make("tbody", {}, ...body));
  return make("div", { class: "wide" }, whole);
}

function drawing({ svg, alt }) {
  if (!svg) return null;
  const source = `data:image/svg+xml;charset=utf-8,${encodeURIComponent(svg)}`;
  const image = make("img", { src: source, alt, class: "drawing" });
  return make("div", { class: "wide", tabindex: "0" }, image);
}

function section(title, ...inside) {
  return make("section", {}, make("h2", { text: title }), ...inside);
}

function firstPage(page) {
  const much = make("p", { class: "much" }, make("b", { text: page.alive }), page.alive_word);
  const words = make("div", {}, make("h1", { text: page.title }), make("p", { text: page.under }));
  const law = { columns: [], rows: page.law, wide: 0 };
  const looks = page.looks;
  return [
    make("div", { class: "head" }, words, much),
    make("p", { class: "own", text: page.own }),
    make("p", { class: "sum", text: page.sum }),
    make("p", { text: page.notes.join(" ") }),
    make(
      "div",
      { class: "two" },
      table({ ...page.account, wide: 0 }, { total: true, figures: true }),
      table(law, { figures: true }),
    ),
    section(page.clock.title, drawing(page.clock), ...paragraphs(page.clock.lines)),
    section(
      looks.title,
      make("p", { text: `${looks.sum}; ${looks.key}` }),
      drawing(looks),
      ...paragraphs(looks.remarks),
    ),
    section(page.acts.title, acts(page.acts)),
  ];
}

const paragraphs = (lines) => lines.map((text) => make("p", { text }));

function acts({ rows, none }) {
  if (rows.length === 0) return make("p", { text: none });
  const whole = table({ columns: [], rows, wide: 1 });
  whole.classList.add("acts");
  return whole;
}

function annex({ title, account, lists }, pictures) {
  const balance = table({ ...account, wide: 0 }, { total: true, figures: true });
  const inside = lists.flatMap((list) => [make("h3", { text: list.title }), ...told(list, pictures)]);
  return section(title, balance, ...inside);
}

function told(list, pictures) {
  if (list.figures?.length > 0) return photos(list, pictures);
  return [list.rows.length === 0 ? make("p", { text: list.none }) : listed(list)];
}

/** On a narrow screen each row of a list stands as a paragraph of its own. */
function listed(list) {
  const whole = table(list);
  whole.classList.add("list");
  return whole;
}

function photos({ figures, about, enlarge }, pictures) {
  const each = figures.map((one) => {
    const words = [make("b", { text: one.shows }), ...paragraphs(one.lines)];
    const content = pictures.get(one.photo);
    const shown = content === undefined ? make("p", { class: "missing", text: one.missing })
      : picture(content, one.alt, enlarge);
    return make("figure", {}, shown, make("figcaption", {}, ...words));
  });
  return [make("p", { text: about }), make("div", { class: "photos" }, ...each)];
}

/** A photo that grows to its whole size and back. */
function picture(content, alt, enlarge) {
  const image = make("img", { src: `data:image/jpeg;base64,${content}`, alt });
  const button = make("button", { type: "button", class: "photo", title: enlarge, "aria-pressed": "false" }, image);
  button.addEventListener("click", () => {
    const large = button.closest("figure").classList.toggle("large");
    button.setAttribute("aria-pressed", String(large));
  });
  return button;
}

/** The pictures by their names. */
function picturesIn(lines) {
  const parts = lines.map(partOf).filter((part) => part !== null && part[0] === "photo");
  return new Map(parts.map(([, name, content]) => [name, content]));
}

function signs([grower, officer, stamp]) {
  return make(
    "div",
    { class: "sign" },
    make("p", { text: grower }),
    make("p", { text: officer }),
    make("p", { text: stamp, class: "stamp" }),
  );
}

/** The stored texts are many: they are written out when somebody asks for them. */
function records(lines) {
  const whole = make("details", {}, make("summary", { text: say("records") }));
  whole.addEventListener(
    "toggle",
    () => {
      for (const part of lines.map(partOf))
        if (part !== null && part[0] === "record")
          whole.append(make("pre", { text: `${part[1]}\n${part[4]}` }));
    },
    { once: true },
  );
  return whole;
}

function choices(redraw) {
  const languages = Object.keys(WORDS).map((code) => {
    const button = make("button", {
      type: "button",
      text: code === "es" ? "Español" : "English",
      lang: code,
      "aria-pressed": String(code === language),
    });
    button.addEventListener("click", () => {
      language = code;
      redraw();
    });
    return button;
  });
  const print = make("button", { type: "button", text: say("print") });
  print.addEventListener("click", () => window.print());
  return make("p", {}, ...languages, print);
}

function otherFile() {
  const input = make("input", { type: "file", accept: ".html,text/html" });
  const answer = make("div", { role: "status" });
  input.addEventListener("change", async () => {
    const [file] = input.files;
    if (!file) return;
    // The same file may be chosen again, and must then be read again.
    const found = checkFile(new Uint8Array(await file.arrayBuffer()));
    input.value = "";
    const name = make("p", { text: say("of_other", { name: file.name }) });
    const told = verdict(found, name);
    if (found.seal) {
      const { nursery, consignment, on } = found.seal;
      told.append(make("p", { text: [nursery, consignment, on].join(" · ") }));
    }
    answer.replaceChildren(told);
  });
  return [make("label", { class: "pick" }, say("other"), input), answer];
}

function draw(found, lines) {
  const holds = found.faults.length === 0;
  const redraw = () => draw(found, lines);
  document.documentElement.lang = language;
  const top = document.getElementById("verdict");
  top.className = holds ? "holds" : "broken";
  top.replaceChildren(verdict(found), choices(redraw));
  const shown = document.getElementById("file");
  // What is read is what was signed: of a file that does not hold, no word is shown.
  if (!holds) shown.replaceChildren(make("p", { class: "own", text: say("hidden") }));
  else {
    const page = JSON.parse(found.file).pages[language];
    document.title = page.title;
    const pictures = picturesIn(lines.slice(lines.length - found.photos));
    shown.replaceChildren(...firstPage(page), signs(page.sign), annex(page.annex, pictures));
  }
  const itself = make("p", { text: say("itself", { key: found.fingerprint ?? "" }) });
  document
    .getElementById("tools")
    .replaceChildren(itself, ...otherFile(), ...(holds ? [records(lines)] : []));
}

function open() {
  const text = document.getElementById("bundle").textContent;
  const known = navigator.languages.map((one) => one.slice(0, 2));
  language = known.find((one) => one in WORDS) ?? "en";
  const top = document.getElementById("verdict");
  top.replaceChildren(make("strong", { text: say("checking") }));
  // The browser paints the line above before the work begins.
  setTimeout(() => draw(checkLines(text), text.split("\n")), 30);
}

open();
