/** XML as a strict reader sees it; throws where it is not well-formed or a name has no namespace. */
import { SaxesParser } from 'saxes';

export interface XmlElement {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly children: XmlElement[];
  /** Text directly in it. */
  text: string;
}

export interface XmlDocument {
  readonly root: XmlElement;
  readonly comments: readonly string[];
}

export function readXml(xml: string): XmlDocument {
  const parser = new SaxesParser();
  const root: XmlElement = { name: '', attributes: {}, children: [], text: '' };
  const open = [root];
  const comments: string[] = [];
  parser.on('error', (fault) => {
    throw fault;
  });
  parser.on('comment', (comment) => comments.push(comment));
  parser.on('opentag', ({ name, attributes }) => {
    const element: XmlElement = {
      name,
      attributes: attributes as Record<string, string>,
      children: [],
      text: '',
    };
    open[open.length - 1].children.push(element);
    open.push(element);
  });
  parser.on('text', (text) => {
    open[open.length - 1].text += text;
  });
  parser.on('closetag', () => {
    open.pop();
  });
  parser.write(xml).close();
  return { root: root.children[0], comments };
}

/** Every element of that name, in the order of the document. */
export function elementsNamed(element: XmlElement, name: string): XmlElement[] {
  const own = element.name === name ? [element] : [];
  return [...own, ...element.children.flatMap((child) => elementsNamed(child, name))];
}
