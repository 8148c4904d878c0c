// A basket for the demonstration: it is kept in the memory of the page and goes with it.

import { element, tell } from "./element.js";

export class Basket {
  #items = [];

  constructor(page, service) {
    this.list = page.getElementById("basket");
    this.empty = page.getElementById("basket-empty");
    this.said = page.getElementById("basket-said");
    this.check = `${service}/quotes/check`;
  }

  /** Put in {name, chosen, quantity, net, currency, quote}: all that a till needs, nothing reckoned. */
  put(item, writer) {
    this.#items.push(item);
    this.draw(writer);
    const { name, quantity } = item;
    this.said.textContent = writer.say("in_basket", { quantity: writer.count(quantity), name });
  }

  draw(writer) {
    this.empty.hidden = this.#items.length > 0;
    this.list.replaceChildren(...this.#items.map((item) => this.#draw(item, writer)));
  }

  #draw(item, writer) {
    const price = writer.say("net", { price: writer.money(item.net, item.currency) });
    const title = `${writer.count(item.quantity)} × ${item.name}`;
    const remove = element("button",
      { type: "button", class: "quiet", "aria-label": `${writer.say("remove")}: ${title}` },
      writer.say("remove"));
    remove.addEventListener("click", () => this.#remove(item, writer));
    const held = item.quote && writer.say("held", { moment: writer.moment(item.quote.expires_at) });
    return element("li", {},
      element("p", { class: "item" }, element("strong", {}, title), element("span", {}, price)),
      element("p", { class: "chosen" }, item.chosen.join(" · ")),
      element("p", { class: "terms" }, [writer.say("estimate"), held].filter(Boolean).join(" ")),
      this.#till(item, writer),
      remove);
  }

  #till({ quote }, writer) {
    if (!quote) {
      return element("p", {}, writer.say("no_token"));
    }
    const body = JSON.stringify({ token: quote.token });
    const posted = `POST ${this.check}\nContent-Type: application/json\n\n${body}`;
    return element("details", {},
      element("summary", {}, writer.say("till")),
      element("pre", { tabindex: "0" }, posted));
  }

  #remove(item, writer) {
    this.#items = this.#items.filter((each) => each !== item);
    this.draw(writer);
    tell(this.said, writer.say("removed", { name: item.name }));
    // The button that had the focus is gone; what happened is said at the head of the basket.
    this.said.tabIndex = -1;
    this.said.focus();
  }
}
