// Building elements, and drawing a part of the screen anew without taking the focus or the typed words away.

/** el("button", {class: "second", id: "x", click: act, "aria-expanded": true}, "words", child, null) */
export function el(tag, facts = {}, ...children) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(facts)) {
    if (value === false || value === null || value === undefined) continue;
    if (typeof value === "function") made.addEventListener(name, value);
    else if (name === "value" || name === "checked") made[name] = value;
    else made.setAttribute(name, value === true && !name.startsWith("aria-") ? "" : value);
  }
  made.append(...children.flat(Infinity).filter((child) => child !== null && child !== undefined && child !== false));
  return made;
}

export const byId = (id) => document.getElementById(id);

const drawn = new WeakMap();

/** Fill a container if what it shows (`facts`) is not what it showed last; focus and selection stay by id. */
export function draw(container, facts, build) {
  const signature = JSON.stringify(facts);
  if (drawn.get(container) === signature) return;
  drawn.set(container, signature);
  const focus = container.contains(document.activeElement) ? document.activeElement : null;
  const where = focus && { id: focus.id, from: selection(focus, "Start"), to: selection(focus, "End") };
  container.replaceChildren(...[build()].flat(Infinity).filter(Boolean));
  if (!where?.id) return;
  const again = byId(where.id);
  again?.focus({ preventScroll: true });
  if (again && where.from !== null) again.setSelectionRange(where.from, where.to);
}

function selection(element, end) {
  try {
    return element[`selection${end}`] ?? null;
  } catch {
    return null; // numbers and buttons have none
  }
}

/** A labelled field. `about` may hold help, problem, optional (words) and facts of the input; `keepIn` gets what is typed. */
export function field({ id, label, draft, name, help, problem, optional, ...facts }) {
  const described = [help && `${id}-help`, problem && `${id}-problem`].filter(Boolean).join(" ");
  const input = el(facts.tag ?? "input", {
    ...{ id, name, value: draft[name] ?? "", autocomplete: "off", "aria-describedby": described || null },
    ...{ "aria-invalid": problem ? "true" : null, ...facts, tag: null },
    input: (event) => (draft[name] = event.target.value),
  });
  return el(
    "div",
    { class: problem ? "field wants" : "field" },
    el("label", { for: id }, label, optional ? el("span", { class: "optional" }, ` (${optional})`) : null),
    input,
    help ? el("div", { class: "help", id: `${id}-help` }, help) : null,
    problem ? el("p", { class: "door-problem", id: `${id}-problem` }, problem) : null,
  );
}

/** One of several, as large targets. `options` are {value, label, note}. */
export function choice({ id, legend, options, draft, name, problem, changed = () => undefined }) {
  const described = problem ? `${id}-problem` : null;
  return el(
    "fieldset",
    { class: problem ? "door-choice wants" : "door-choice", "aria-describedby": described },
    el("legend", {}, legend),
    options.map((option) =>
      el(
        "label",
        { for: `${id}-${option.value}` },
        el("input", {
          ...{ type: "radio", id: `${id}-${option.value}`, name: id, value: option.value },
          checked: String(draft[name]) === String(option.value),
          change: () => {
            draft[name] = option.value;
            changed();
          },
        }),
        el("span", {}, option.label, option.note ? el("small", {}, ` ${option.note}`) : null),
      ),
    ),
    problem ? el("p", { class: "door-problem", id: described }, problem) : null,
  );
}
