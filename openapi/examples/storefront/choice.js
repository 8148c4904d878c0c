// What is chosen, and how the address of the page says so: #flyer?size=a6&quantity=500&language=de

/** A choice: product and language may be null, quantity too; options hold only what was chosen. */
export function readChoice(fragment) {
  const text = fragment.replace(/^#/, "");
  const cut = text.indexOf("?");
  const query = new URLSearchParams(cut < 0 ? "" : text.slice(cut + 1));
  const choice = {
    product: decoded(cut < 0 ? text : text.slice(0, cut)) || null,
    quantity: query.get("quantity"),
    language: query.get("language"),
    options: {},
  };
  for (const [name, value] of query) {
    if (name !== "quantity" && name !== "language") {
      choice.options[name] = value;
    }
  }
  return choice;
}

export function writeChoice({ product, quantity, language, options }) {
  const query = new URLSearchParams(options);
  for (const [name, value] of Object.entries({ quantity, language })) {
    if (value !== null) {
      query.set(name, value);
    }
  }
  const text = query.toString();
  return `#${encodeURIComponent(product ?? "")}${text && `?${text}`}`;
}

function decoded(text) {
  try {
    return decodeURIComponent(text);
  } catch {
    return "";
  }
}
