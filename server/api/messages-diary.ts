/** The wire of a spool's diary: what a person entered of it, as it was entered. */
import { type Static, Type } from 'typebox';

export const DiaryQuerySchema = Type.Object({ spool: Type.String({ minLength: 1, maxLength: 16 }) });

export const DiarySchema = Type.Object({
  /** Oldest first; the latest 200. Lids of the spool's station are among them. */
  entries: Type.Array(
    Type.Object({
      /** Grows by the order of entering. */
      number: Type.Number(),
      atMs: Type.Number({ description: 'milliseconds since the Unix epoch' }),
      kind: Type.String(),
      massG: Type.Optional(Type.Number()),
      resolutionG: Type.Optional(Type.Number()),
      /** Taken back later: it counts no more. */
      undone: Type.Boolean(),
    }),
  ),
});
export type Diary = Static<typeof DiarySchema>;
export type DiaryEntry = Diary['entries'][number];
