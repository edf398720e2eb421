/** The program's own source files, for the rules that hold over all of them. */
import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';

/** The checkout's top folder. */
export const TOP = join(dirname(fileURLToPath(import.meta.url)), '..', '..');

export interface SourceFile {
  /** From the top folder, with forward slashes. */
  readonly path: string;
  readonly lines: number;
  /** The text without comments and with every quoted text emptied, so that words in prose do not count. */
  readonly code: string;
  readonly imports: readonly Import[];
}

export interface Import {
  /** As written, e.g. `../columns.ts` or `zod`. */
  readonly from: string;
  /** From the top folder, for relative imports. */
  readonly path: string | undefined;
  /** Only types cross: nothing is left of it at run time. */
  readonly isTypeOnly: boolean;
}

/** All TypeScript and JavaScript files below `folder` of the top folder. */
export function sourceFiles(folder: string): SourceFile[] {
  return readdirSync(join(TOP, folder), { recursive: true, encoding: 'utf8' })
    .filter((name) => /\.(ts|tsx|mjs|js)$/.test(name))
    .map((name) => sourceFile(join(folder, name)));
}

function sourceFile(path: string): SourceFile {
  const text = readFileSync(join(TOP, path), 'utf8');
  return {
    path: path.replaceAll('\\', '/'),
    lines: text.split('\n').length - 1,
    code: withoutProse(text),
    imports: importsOf(text, path),
  };
}

/** Comments go, quoted texts become empty; what stands in `${ }` of a template stays. */
export function withoutProse(text: string): string {
  return text.replaceAll(
    /\/\*[\s\S]*?\*\/|(?<![:\\])\/\/[^\n]*|'(?:[^'\\\n]|\\.)*'|"(?:[^"\\\n]|\\.)*"|`(?:[^`\\]|\\.)*`/g,
    (piece) => {
      if (piece.startsWith('/')) return ' ';
      if (piece.startsWith('`'))
        return `(${[...piece.matchAll(/\$\{([^}]*)\}/g)].map((hole) => hole[1]).join(';')})`;
      return "''";
    },
  );
}

function importsOf(text: string, path: string): Import[] {
  const statements = text.matchAll(/^(?:import|export)\s+(type\s+)?(?:([^'";=]*?)\s+from\s+)?'([^']+)';/gm);
  return [...statements].map(([, type, names, from]) => ({
    from,
    path: from.startsWith('.')
      ? relative(TOP, join(TOP, dirname(path), from)).replaceAll('\\', '/')
      : undefined,
    isTypeOnly: type !== undefined || everyNameIsType(names ?? ''),
  }));
}

/** `{ type A, type B }` */
function everyNameIsType(names: string): boolean {
  const list = /^\{([^}]*)\}$/.exec(names.trim())?.[1];
  if (list === undefined) return false;
  return list
    .split(',')
    .filter((name) => name.trim() !== '')
    .every((name) => name.trim().startsWith('type '));
}
