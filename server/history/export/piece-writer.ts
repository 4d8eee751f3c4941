import type { RawColumns } from '../../ports/sample-store.ts';

/** What a column of values is called and counted in. */
export interface ExportedSeries {
  readonly name: string;
  readonly unit: string;
}

/** Samples of one series in one unit: where the unit changed, a new piece begins. */
export interface ExportPiece extends ExportedSeries {
  readonly columns: Omit<RawColumns, 'series'>;
}

/** Turns pieces into the bytes of a file, in order; what a piece adds may be empty and come with a later one. */
export interface PieceWriter {
  add(piece: ExportPiece): Promise<Uint8Array<ArrayBuffer>>;
  finish(): Promise<Uint8Array<ArrayBuffer>>;
}
