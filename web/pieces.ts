/** A sentence with tones in it: plain text, a soft range behind a figure, or a figure with the mark it has on the ruler. */
export type Piece =
  | string
  | { readonly soft: string }
  | {
      readonly key: string;
      readonly mark: 'ring' | 'rails' | 'flag';
      readonly tone: 'water' | 'heat' | 'ink';
    };

/** The same sentence as plain text: for the title, the announcement and a reader without eyes. */
export function plainText(pieces: readonly Piece[]): string {
  return pieces
    .map((piece) => (typeof piece === 'string' ? piece : 'soft' in piece ? piece.soft : piece.key))
    .join('');
}
