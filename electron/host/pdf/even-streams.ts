/** Streams of a PDF packed by a library of our own choice: Node's zlib writes other bytes on other kinds of machine. */
import { zlibSync } from 'fflate';

/** What the library's types leave out of an object of the file. */
interface OpenObject {
  buffer: Uint8Array[];
  readonly data: { Filter?: unknown };
  finalize(): void;
}

interface OpenDocument {
  ref(data: object): OpenObject;
}

/** Has every stream that the document writes from now on packed. The document itself must not pack (`compress: false`). */
export function packEvenly(doc: PDFKit.PDFDocument): void {
  const open = doc as unknown as OpenDocument;
  const made = open.ref.bind(open);
  open.ref = (data) => {
    const object = made(data);
    const written = object.finalize.bind(object);
    object.finalize = () => {
      if (object.buffer.length > 0 && object.data.Filter === undefined) {
        object.buffer = [zlibSync(Buffer.concat(object.buffer), { level: 6 })];
        object.data.Filter = 'FlateDecode';
      }
      written();
    };
    return object;
  };
}
