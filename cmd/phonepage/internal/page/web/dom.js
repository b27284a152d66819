// Small helpers to build what is shown. Text always goes in as text, never as markup.

/** Makes an element: h("p", {class: "quiet"}, "some ", h("b", {}, "text")). on… are listeners. */
export function h(tag, attributes = {}, ...children) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (name.startsWith("on")) node.addEventListener(name.slice(2), value);
    else if (value === true) node.setAttribute(name, "");
    else if (value !== false && value !== undefined && value !== null) node.setAttribute(name, value);
  }
  node.append(...children.flat().filter((c) => c !== null && c !== undefined && c !== false));
  return node;
}

/** Puts children into a node in place of what it holds. */
export function fill(node, ...children) {
  node.replaceChildren(...children.flat().filter((c) => c !== null && c !== undefined && c !== false));
  return node;
}

export const one = (id) => document.getElementById(id);

/** A picture that the scorer drew; what can't be read is left out. */
export function picture(svg) {
  const parsed = new DOMParser().parseFromString(svg || "", "image/svg+xml").documentElement;
  return parsed.nodeName === "svg" ? document.importNode(parsed, true) : null;
}

/** A phrase: its name, boxes as a picture, and the words to count it by. */
export function phraseCard(p, ...more) {
  return h("div", { class: "phrase" },
    h("p", { class: "name" }, p.name),
    h("p", { class: "quiet" }, `tier ${p.tier}, ${p.meter}`),
    h("figure", {}, picture(p.picture) || h("code", {}, p.boxes)),
    more);
}

/** Says something to who listens to the page, and shows it for a while. */
export function say(text) {
  const place = one("say");
  place.textContent = "";
  requestAnimationFrame(() => { place.textContent = text; });
}

/** Shows what went wrong, in the place where it matters. */
export function wrong(place, e) {
  const text = e.advice ? `${sentence(e.message)} ${sentence(e.advice)}` : sentence(e.message || String(e));
  fill(place, h("p", { class: "wrong", role: "alert" }, text));
}

export function sentence(text) {
  const first = text.charAt(0).toUpperCase() + text.slice(1);
  return /[.!?]$/.test(first) ? first : `${first}.`;
}

/** Offers text as a file to keep. */
export function saveFile(name, text, type = "text/plain") {
  const url = URL.createObjectURL(new Blob([text], { type }));
  const a = h("a", { href: url, download: name });
  document.body.append(a);
  a.click();
  a.remove();
  setTimeout(() => URL.revokeObjectURL(url), 60_000);
}

export function clock(seconds) {
  const s = Math.floor(seconds);
  return `${Math.floor(s / 60)}:${String(s % 60).padStart(2, "0")}`;
}
