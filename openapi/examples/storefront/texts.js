// What the page itself says, in each of its languages, and how it writes figures and dates.

const TEXTS = {
  en: {
    place: "At the old ferry steps, Port Ellery",
    language: "Language",
    range: "What we print",
    welcome: "Choose what to print",
    quantity: "Quantity",
    other_quantity: "Another quantity",
    free_quantity: "Number of copies",
    from_to: "{from} to {to}",
    from_to_step: "{from} to {to}, in steps of {step}",
    whole: "Give a whole number, {range}.",
    choose: "Please choose",
    choose_first: "Choose {names} to see the price.",
    moved: "Now {name}, to go with what else you chose.",
    afresh: "Start again",
    price: "Price",
    renewing: "Earlier price; being renewed.",
    in_work: "being renewed",
    first: "Your price is being worked out.",
    asking: "Asking for the price",
    copies: "for {quantity}",
    each: "{price} each",
    ready: "Ready {moment}",
    same: "Up to {quantity} cost the same.",
    more: "{more} more for {price}: {each} each",
    put: "Put in basket",
    net_of_tax: "All prices are net of tax.",
    estimate: "An estimate until the shop confirms it.",
    held: "Held for you until {moment}.",
    down: "Prices cannot be shown just now. Your choice is kept; try again.",
    missing: "There is no such product here. Choose another one.",
    busy: "Too much was asked at once. Your choice is kept.",
    wait: "Asked again in {seconds} s.",
    faults: "There is no price for this choice: see what is said beside it.",
    refused: "We cannot print this choice.",
    policy: "The content policy of this page does not let it ask {address}.",
    again: "Try again",
    ladder: "Prices of other quantities",
    net_price: "Net price",
    price_each: "Each",
    chosen: "your choice",
    basket: "Basket",
    empty: "Nothing in it yet. It lasts as long as this page is open.",
    in_basket: "{quantity} × {name} put in the basket.",
    net: "{price} net of tax",
    till: "What the till would post to have this price checked",
    no_token: "The service signs no quotes; the till asks for the price anew.",
    remove: "Take out",
    removed: "{name} taken out of the basket.",
  },
  de: {
    place: "An der alten Fährtreppe, Port Ellery",
    language: "Sprache",
    range: "Was wir drucken",
    welcome: "Was soll gedruckt werden?",
    quantity: "Auflage",
    other_quantity: "Andere Auflage",
    free_quantity: "Anzahl",
    from_to: "{from} bis {to}",
    from_to_step: "{from} bis {to}, in Schritten von {step}",
    whole: "Bitte eine ganze Zahl, {range}.",
    choose: "Bitte wählen",
    choose_first: "Bitte wählen Sie {names}, dann erscheint der Preis.",
    moved: "Jetzt {name}, passend zu Ihrer übrigen Wahl.",
    afresh: "Von vorn beginnen",
    price: "Preis",
    renewing: "Früherer Preis; wird erneuert.",
    in_work: "wird erneuert",
    first: "Ihr Preis wird berechnet.",
    asking: "Der Preis wird erfragt",
    copies: "für {quantity}",
    each: "{price} je Stück",
    ready: "Fertig {moment}",
    same: "Bis {quantity} kosten dasselbe.",
    more: "{more} mehr für {price}: {each} je Stück",
    put: "In den Korb",
    net_of_tax: "Alle Preise ohne Umsatzsteuer.",
    estimate: "Eine Schätzung, bis die Druckerei sie bestätigt.",
    held: "Für Sie gehalten bis {moment}.",
    down: "Preise können gerade nicht gezeigt werden. Ihre Wahl bleibt; bitte noch einmal versuchen.",
    missing: "Dieses Produkt gibt es hier nicht. Bitte ein anderes wählen.",
    busy: "Es wurde zu viel auf einmal gefragt. Ihre Wahl bleibt.",
    wait: "Neue Frage in {seconds} s.",
    faults: "Für diese Wahl gibt es keinen Preis: der Grund steht daneben.",
    refused: "Diese Wahl können wir nicht drucken.",
    policy: "Die Inhaltsrichtlinie dieser Seite erlaubt keine Fragen an {address}.",
    again: "Noch einmal versuchen",
    ladder: "Preise anderer Auflagen",
    net_price: "Nettopreis",
    price_each: "Je Stück",
    chosen: "Ihre Wahl",
    basket: "Korb",
    empty: "Noch leer. Er besteht, solange diese Seite offen ist.",
    in_basket: "{quantity} × {name} in den Korb gelegt.",
    net: "{price} ohne Umsatzsteuer",
    till: "Was die Kasse sendet, um diesen Preis prüfen zu lassen",
    no_token: "Der Dienst zeichnet keine Preise; die Kasse fragt neu.",
    remove: "Herausnehmen",
    removed: "{name} aus dem Korb genommen.",
  },
};

const MONEY_DIGITS_EACH = 4;

/** Writes texts, figures and dates in one language; texts fall back to English. */
export class Writer {
  constructor(language, time_zone = undefined) {
    this.language = language;
    this.texts = TEXTS[language.split("-")[0].toLowerCase()] ?? TEXTS.en;
    this.locale = localeOf(language, navigator.languages);
    this.time_zone = time_zone;
  }

  say(key, values = {}) {
    return this.texts[key].replace(/\{(\w+)\}/g, (_, name) => values[name]);
  }

  count(number) {
    return new Intl.NumberFormat(this.locale).format(number);
  }

  /** An amount as the service wrote it: a decimal text is formatted exactly, never as a float. */
  money(amount, currency) {
    return new Intl.NumberFormat(this.locale, { style: "currency", currency }).format(amount);
  }

  /** A price per piece, where fractions of the smallest coin count. */
  moneyEach(amount, currency) {
    return new Intl.NumberFormat(this.locale, {
      style: "currency",
      currency,
      minimumFractionDigits: MONEY_DIGITS_EACH,
      maximumFractionDigits: MONEY_DIGITS_EACH,
    }).format(amount);
  }

  /** An instant in the shop's time, for that is where the work is fetched; the zone is told. */
  moment(instant) {
    const parts = { weekday: "long", day: "numeric", month: "long", hour: "numeric" };
    const style = { ...parts, minute: "2-digit", timeZoneName: "short", timeZone: this.time_zone };
    return new Intl.DateTimeFormat(this.locale, style).format(new Date(instant));
  }
}

/** The reader's own locale of a language, as en-GB of en; the language itself where there is none. */
function localeOf(language, preferred) {
  const base = language.split("-")[0].toLowerCase();
  return preferred.find((tag) => tag.split("-")[0].toLowerCase() === base) ?? language;
}
