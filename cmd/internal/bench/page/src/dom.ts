// Small words for making elements.

type Child = Node | string | null | undefined | false;

/**
 * Makes an element. Properties are attributes, but for `on...` functions, which
 * listen; true writes an empty attribute, false and undefined none.
 */
export function make<K extends keyof HTMLElementTagNameMap>(
  tag: K,
  properties: Record<string, string | number | boolean | undefined | ((event: Event) => void)> = {},
  ...children: Child[]
): HTMLElementTagNameMap[K] {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(properties)) {
    if (typeof value === "function") element.addEventListener(name.slice(2), value);
    else if (value === true) element.setAttribute(name, "");
    else if (value !== false && value !== undefined) element.setAttribute(name, String(value));
  }
  element.append(...children.filter((child): child is Node | string => !!child));
  return element;
}

/** The element of the page with that id; the page is broken without it. */
export function find<T extends HTMLElement = HTMLElement>(id: string): T {
  const element = document.getElementById(id);
  if (!element) throw new Error(`the page has no element "${id}"`);
  return element as T;
}

/** Writes text only where it differs, so that screen readers stay calm. */
export function write(element: Element, text: string): void {
  if (element.textContent !== text) element.textContent = text;
}

/** A number for people: at most so many decimals, no zeros behind. */
export function figure(value: number | string, decimals = 2): string {
  if (typeof value === "string") return value;
  return String(Number(value.toFixed(decimals)));
}

/** Whether the user asked for little motion. */
export function calm(): boolean {
  return matchMedia("(prefers-reduced-motion: reduce)").matches;
}
