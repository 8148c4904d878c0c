// Makes elements of the page. Texts are set as texts: what a service says is never read as HTML.

/** Return a new element: attributes by name (true stands alone, false and null stay out). */
export function element(name, attributes = {}, ...children) {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (value !== false && value !== null && value !== undefined) {
      made.setAttribute(key, value === true ? "" : value);
    }
  }
  made.append(...children);
  return made;
}

/** Set a text, and hide the element where there is none. */
export function tell(target, text) {
  target.textContent = text ?? "";
  target.hidden = !text;
}

/** Whether a button does nothing now. It keeps the focus, which a disabled one would lose. */
export function rest(button, resting) {
  button.setAttribute("aria-disabled", String(resting));
}

export function rests(button) {
  return button.getAttribute("aria-disabled") === "true";
}
