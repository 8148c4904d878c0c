// The storefront: asks what is sold, lets choose, and shows the price that the service names.
// It reckons nothing with money: every amount is shown as it was answered.

import { Basket } from "./basket.js";
import { readChoice, writeChoice } from "./choice.js";
import { element } from "./element.js";
import { faultOfNumber, Form } from "./form.js";
import { Panel } from "./panel.js";
import { Service, serviceAddress, Trouble, Turns } from "./service.js";
import { Writer } from "./texts.js";

// How long to wait for the next digit before what was typed is asked.
const TYPING_MS = 250;
// A browser takes a longer time for none at all.
const LONGEST_TIMER_MS = 2 ** 31 - 1;

class Shop {
  #turns = new Turns();
  #typing = 0;
  #notBefore_ms = 0;
  #range = null;
  #product = null;
  #blocked = "";
  #told = "";
  #over = 0;
  // Options that were typed and cannot be asked: there is no price until they are mended.
  #unfit = new Set();

  constructor(page, address) {
    const query = new URLSearchParams(address.search);
    this.page = page;
    this.service = new Service(serviceAddress(page, query));
    this.choice = readChoice(address.hash);
    this.first = query.get("product") || page.body.dataset.product || null;
    this.writer = new Writer(this.choice.language ?? navigator.language);
    this.form = new Form(page, (name, value, typed) => this.#change(name, value, typed));
    this.panel = new Panel(page, {
      take: (quantity) => this.#change("quantity", quantity, false),
      again: () => this.renew(),
    });
    this.basket = new Basket(page, this.service.base);
    this.#listen();
  }

  #listen() {
    const at = (id) => this.page.getElementById(id);
    at("put").addEventListener("click", () => this.#put());
    at("afresh").addEventListener("click", () => {
      const { product, language } = this.choice;
      this.#take({ product, language, quantity: null, options: {} });
    });
    at("language").addEventListener("change", (event) => {
      this.#take({ ...this.choice, language: event.target.value });
    });
    addEventListener("hashchange", () => this.#take(readChoice(location.hash)));
    this.page.addEventListener("securitypolicyviolation", (event) => {
      if (event.effectiveDirective === "connect-src") {
        this.#blocked = event.blockedURI;
        this.panel.fail(this.writer.say("policy", { address: event.blockedURI }));
      }
    });
  }

  #take(choice) {
    this.choice = choice;
    this.#unfit.clear();
    this.renew();
  }

  /** Something was chosen: a value, or null for what cannot be asked. */
  #change(name, value, typed) {
    this.#turns.stop();
    clearTimeout(this.#typing);
    if (value === null) {
      this.#unfit.add(name);
    } else {
      this.#unfit.delete(name);
      this.choice = name === "quantity"
        ? { ...this.choice, quantity: value }
        : { ...this.choice, options: { ...this.choice.options, [name]: value } };
    }
    this.panel.renew(this.writer);
    if (typed) {
      this.#typing = setTimeout(() => this.renew(), TYPING_MS);
    } else {
      this.renew();
    }
  }

  /** Ask the service about what is chosen now, and show what it says. */
  async renew() {
    clearTimeout(this.#typing);
    clearTimeout(this.#over);
    if (this.#unfit.size > 0) {
      this.#turns.stop();
      this.form.showFaults([...this.#unfit].map((name) => faultOfNumber(name, this.writer)));
      this.panel.fail(this.writer.say("faults"));
      return;
    }
    if (Date.now() < this.#notBefore_ms) {
      this.#hold();
      return;
    }
    this.panel.renew(this.writer);
    const turn = this.#turns.begin();
    try {
      const answer = await this.#ask(turn);
      if (turn.isLast()) {
        this.#show(answer);
      }
    } catch (trouble) {
      if (turn.isLast()) {
        await this.#fail(trouble, turn);
      }
    } finally {
      turn.end();
    }
  }

  /** Ask for the range, the product and its prices. Raises Trouble. */
  async #ask({ signal, isLast }) {
    const { language, options } = this.choice;
    if (this.#range === null || this.#range.asked !== language) {
      this.#range = { asked: language, ...(await this.service.products(language, signal)) };
    }
    const id = this.choice.product ?? this.first ?? this.#range.products[0]?.id;
    const asked = { ...options, language };
    const product = this.service.product(id, asked, signal);
    let { quantity } = this.choice;
    let known = this.#product?.id === id ? this.#product.quantities.ladder : [];
    if (quantity === null) {
      known = (await product).quantities.ladder;
      quantity = String(known[Math.floor((known.length - 1) / 2)]);
    }
    if (isLast()) {
      this.choice = { ...this.choice, product: id, quantity };
    }
    const single = () => this.service.prices(id, { ...asked, quantity }, signal);
    const all = await Promise.allSettled([
      product,
      this.service.prices(id, asked, signal),
      known.includes(Number(quantity)) ? null : single(),
    ]);
    if (all[0].status === "fulfilled" && isLast()) {
      this.#showProduct(all[0].value);
    }
    worst(all);
    const [{ value: answered }, { value: ladder }, { value: one }] = all;
    const row = ladder.prices.find((each) => each.quantity === Number(quantity));
    const refusing = row ? null : (one ?? (await single()));
    return { product: answered, ladder, row: row ?? refusing.prices[0], refusing };
  }

  #show({ product, ladder, row, refusing }) {
    this.writer = new Writer(product.language, ladder.clock?.time_zone ?? undefined);
    if (row) {
      this.panel.show({ row, rows: ladder.prices }, this.writer);
      this.#renewWhenOver(row.quote);
    } else {
      this.panel.refuse(refusing.refusals, this.writer);
    }
  }

  /** Ask anew when the price is held no longer, so that none that has run out stands here. */
  #renewWhenOver(quote) {
    const left_ms = quote ? Date.parse(quote.expires_at) - Date.now() : 0;
    // Nothing is left of what has just been answered only where the reader's clock is wrong.
    if (left_ms > 0) {
      this.#over = setTimeout(() => this.renew(), Math.min(left_ms, LONGEST_TIMER_MS));
    }
  }

  /** Show what can be chosen, and keep it in the address of the page. */
  #showProduct(product) {
    if (product.language !== this.writer.language) {
      this.writer = new Writer(product.language, this.writer.time_zone);
    }
    this.#product = product;
    if (this.#told !== product.language) {
      this.#showTexts();
      this.#told = product.language;
    }
    this.#showRange(product.id);
    this.page.title = `${product.name}, ${this.page.querySelector(".shop").textContent}`;
    this.page.getElementById("product-name").textContent = product.name;
    this.page.getElementById("product-about").textContent = product.about ?? "";
    this.form.clearFaults();
    this.form.update(product, this.choice, this.writer);
    history.replaceState(null, "", location.search + writeChoice(this.choice));
  }

  #showTexts() {
    this.page.documentElement.lang = this.writer.language;
    for (const target of this.page.querySelectorAll("[data-text]:not(h1)")) {
      target.textContent = this.writer.say(target.dataset.text);
    }
    for (const target of this.page.querySelectorAll("[data-label]")) {
      target.setAttribute("aria-label", this.writer.say(target.dataset.label));
    }
    this.basket.draw(this.writer);
    const named = new Intl.DisplayNames([this.writer.language], { type: "language" });
    const languages = this.page.getElementById("language");
    languages.replaceChildren(...this.#product.languages.map((tag) =>
      element("option", { value: tag, lang: tag },
        new Intl.DisplayNames([tag], { type: "language" }).of(tag) ?? named.of(tag))));
    languages.value = this.#product.language;
  }

  #showRange(chosen) {
    const { language } = this.choice;
    const list = this.page.getElementById("products");
    const focused = list.contains(this.page.activeElement) ? this.page.activeElement.id : "";
    list.replaceChildren(...this.#range.products.map(({ id, name, about }) => {
      const href = writeChoice({ product: id, quantity: null, language, options: {} });
      const current = id === chosen && "page";
      return element("li", {},
        element("a", { id: `product-${id}`, href, "aria-current": current }, name),
        element("small", {}, about ?? ""));
    }));
    this.page.getElementById(focused)?.focus();
  }

  /** Say what went wrong, as what it is. */
  async #fail(trouble, turn) {
    if (!(trouble instanceof Trouble)) {
      console.error(trouble);
    }
    if (trouble.kind === "busy") {
      this.#notBefore_ms = Date.now() + 1000 * trouble.wait_s;
      this.#hold();
    } else if (trouble.kind === "faults") {
      await this.#showFaults(trouble.faults, turn);
    } else if (trouble.kind === "missing") {
      if (this.#range !== null) {
        this.#showRange(null);
      }
      this.panel.fail(this.writer.say("missing"));
    } else if (this.#blocked) {
      this.panel.fail(this.writer.say("policy", { address: this.#blocked }));
    } else {
      this.panel.fail(this.writer.say("down"), { again: true });
    }
  }

  /** Show faults beside their options; the form has to be there, and has to let them be mended. */
  async #showFaults(faults, turn) {
    const open = this.#product?.options.filter(
      (option) => this.choice.product === this.#product.id && option.settled === null);
    if (open?.length && faults.every(({ code }) => code === "required")) {
      const names = open.map((option) => option.name).join(", ");
      this.panel.fail(this.writer.say("choose_first", { names }));
      return;
    }
    const { product, language } = this.choice;
    try {
      // What is legal among options that contradict each other nobody can tell: offer all of them.
      const bare = await this.service.product(product, { language }, turn.signal);
      if (turn.isLast()) {
        this.#showProduct(bare);
      }
    } catch {
      // Faults of the language, or a service that went away: they are told above the form.
    }
    if (turn.isLast()) {
      this.form.showFaults(faults);
      this.panel.fail(this.writer.say("faults"));
    }
  }

  #hold() {
    this.panel.hold(this.#notBefore_ms, this.writer, () => this.renew());
  }

  #put() {
    const { shown } = this.panel;
    if (shown === null) {
      return;
    }
    const { row, currency } = shown;
    const chosen = this.#product.options.map(({ name, values, settled }) =>
      `${name}: ${values?.find((value) => value.id === settled)?.name ?? settled}`);
    const { name } = this.#product;
    const { quantity, quote, price } = row;
    this.basket.put({ name, chosen, quantity, net: price.net, currency, quote }, this.writer);
  }
}

/** Raise what went wrong with the most to say about it, if anything did. */
function worst(settled) {
  const troubles = settled.filter((each) => each.status === "rejected").map((each) => each.reason);
  for (const kind of ["busy", "missing", "down", "faults"]) {
    const found = troubles.find((trouble) => trouble.kind === kind);
    if (found) {
      throw found;
    }
  }
  if (troubles.length > 0) {
    throw troubles[0];
  }
}

new Shop(document, location).renew();
