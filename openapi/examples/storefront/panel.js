// The price of what is chosen, the ladder of quantities, and what is said where there is no price.

import { element, rest, rests, tell } from "./element.js";

// An answer that comes sooner needs no sign that it is awaited.
const SPINNER_AFTER_MS = 150;

export class Panel {
  #spinner = 0;
  #wait = 0;
  #next = null;

  /** shown: {row, currency} of the price that stands; null where none does. */
  shown = null;

  constructor(page, { take, again }) {
    for (const id of ["net", "each", "ready", "same", "more", "put", "held", "figures", "renewing",
      "spinner", "trouble", "refusals", "ladder", "wait", "again", "bar"]) {
      this[id] = page.getElementById(id);
    }
    this.section = page.getElementById("price");
    this.text = page.getElementById("trouble-text");
    this.more.addEventListener("click", () => rests(this.more) || take(String(this.#next)));
    this.again.addEventListener("click", again);
  }

  /** A question is under way: what stands is of the choice before, and says so. */
  renew(writer) {
    this.section.classList.add("asking");
    this.bar.classList.add("asking");
    this.bar.lastElementChild.textContent = writer.say("in_work");
    this.figures.setAttribute("aria-busy", "true");
    tell(this.renewing, writer.say(this.net.textContent ? "renewing" : "first"));
    rest(this.put, true);
    rest(this.more, true);
    this.shown = null;
    if (!this.#spinner) {
      this.#spinner = setTimeout(() => { this.spinner.hidden = false; }, SPINNER_AFTER_MS);
    }
  }

  /** Show the price of a row, and the rows of the ladder with it. */
  show({ row, rows }, writer) {
    const { currency } = row.price;
    this.#settle();
    const copies = element("small", {}, writer.say("copies", { quantity: writer.count(row.quantity) }));
    this.net.replaceChildren(writer.money(row.price.net, currency), " ", copies);
    tell(this.each, writer.say("each", { price: writer.moneyEach(row.price.per_piece, currency) }));
    tell(this.ready, row.ready_at && writer.say("ready", { moment: writer.moment(row.ready_at) }));
    const same = row.price.same_price_to;
    tell(this.same, same > row.quantity && writer.say("same", { quantity: writer.count(same) }));
    this.#showBar(this.net.textContent, "");
    this.#showNext(row, currency, writer);
    const held = row.quote && writer.moment(row.quote.expires_at);
    tell(this.held, held && writer.say("held", { moment: held }));
    rest(this.put, false);
    this.#showLadder(rows, row, writer);
    this.shown = { row, currency };
  }

  /** Say why there is no price. Whatever stood is taken away: it is of another choice or moment. */
  fail(text, { again = false } = {}) {
    this.#clear();
    this.#showBar("", text);
    this.text.textContent = text;
    this.again.hidden = !again;
    this.trouble.hidden = false;
  }

  refuse(refusals, writer) {
    this.#clear();
    this.#showBar("", writer.say("refused"));
    const said = refusals.map(({ message, remedy }) =>
      element("li", {}, message, ...(remedy ? [" ", element("span", {}, remedy)] : [])));
    this.refusals.replaceChildren(
      element("p", {}, writer.say("refused")), element("ul", {}, ...said));
    this.refusals.hidden = false;
  }

  /** Count down until the service may be asked again, and then call `done`. */
  hold(until_ms, writer, done) {
    this.fail(writer.say("busy"));
    const count = () => {
      const left_ms = until_ms - Date.now();
      if (left_ms <= 0) {
        done();
        return;
      }
      tell(this.wait, writer.say("wait", { seconds: writer.count(Math.ceil(left_ms / 1000)) }));
      this.#wait = setTimeout(count, Math.min(left_ms, 1000));
    };
    count();
  }

  #settle() {
    clearTimeout(this.#spinner);
    clearTimeout(this.#wait);
    this.#spinner = 0;
    this.section.classList.remove("asking");
    this.bar.classList.remove("asking");
    this.figures.setAttribute("aria-busy", "false");
    for (const each of [this.spinner, this.renewing, this.trouble, this.refusals, this.wait]) {
      each.hidden = true;
    }
  }

  #clear() {
    this.#settle();
    for (const each of [this.net, this.each, this.ready, this.same, this.held]) {
      each.textContent = "";
    }
    this.more.hidden = true;
    this.ladder.hidden = true;
    this.ladder.tBodies[0].replaceChildren();
    rest(this.put, true);
    this.shown = null;
  }

  #showBar(price, state) {
    this.bar.hidden = false;
    this.bar.firstElementChild.textContent = price;
    this.bar.lastElementChild.textContent = state;
  }

  #showNext({ quantity, next_step: step }, currency, writer) {
    this.#next = step?.quantity ?? null;
    tell(this.more, step && writer.say("more", {
      more: writer.count(step.quantity - quantity),
      price: writer.money(step.more, currency),
      each: writer.moneyEach(step.per_piece, currency),
    }));
    rest(this.more, false);
  }

  #showLadder(rows, chosen, writer) {
    const others = rows.filter((row) => row.quantity !== chosen.quantity);
    const all = [...others, chosen].sort((one, two) => one.quantity - two.quantity);
    this.ladder.tBodies[0].replaceChildren(...all.map(({ quantity, price }) => {
      const mine = quantity === chosen.quantity;
      const mark = element("span", { class: "mark" }, writer.say("chosen"));
      return element("tr", { "aria-current": mine && "true" },
        element("th", { scope: "row" }, ...(mine ? [mark, " "] : []), writer.count(quantity)),
        element("td", {}, writer.money(price.net, price.currency)),
        element("td", {}, writer.moneyEach(price.per_piece, price.currency)));
    }));
    this.ladder.hidden = false;
  }
}
