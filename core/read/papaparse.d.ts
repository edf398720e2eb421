/** The little of papaparse that is used here: core has neither DOM nor Node types, which its own typings need. */
declare module 'papaparse' {
  interface ParseError {
    readonly type: 'Quotes' | 'Delimiter' | 'FieldMismatch';
    readonly code: string;
    readonly row?: number;
  }
  interface ParseOptions {
    readonly delimiter: string;
    readonly newline: '\n' | '\r' | '\r\n';
    readonly fastMode?: boolean;
  }
  const Papa: {
    parse(
      text: string,
      options: ParseOptions,
    ): { readonly data: string[][]; readonly errors: readonly ParseError[] };
  };
  export default Papa;
}
