import type { Piece } from './pieces.ts';

/** A sentence with its tones: a soft range behind a figure, a figure with the mark it has on the ruler. */
export function PieceText({ pieces }: { pieces: readonly Piece[] }) {
  return <>{pieces.map(pieceOf)}</>;
}

export function pieceOf(piece: Piece, index: number) {
  if (typeof piece === 'string') return piece;
  if ('soft' in piece)
    return (
      <span class="soft" key={index}>
        {piece.soft}
      </span>
    );
  return (
    <span class={`key ${piece.tone}`} key={index}>
      <MarkGlyph mark={piece.mark} />
      {piece.key}
    </span>
  );
}

/** The mark that a time carries in the sentence is the one that stands at that time on the ruler. */
function MarkGlyph({ mark }: { mark: 'ring' | 'rails' | 'flag' }) {
  return (
    <svg viewBox="0 0 14 14" aria-hidden="true">
      {mark === 'ring' && <circle class="g" cx="7" cy="7" r="5.4" />}
      {mark === 'rails' && <path class="g" d="M0 3.5H14M0 10.5H14" />}
      {mark === 'flag' && (
        <>
          <path class="g" d="M1 0V14" />
          <path d="M1 0L13 4L1 8Z" fill="currentColor" />
        </>
      )}
    </svg>
  );
}
