import { Type, type Static } from 'typebox';

/** What readings and figures can be taken away as. */
export const EXPORT_FORMATS = ['csv', 'parquet'] as const;

export const ExportFormatSchema = Type.Enum([...EXPORT_FORMATS], {
  description: 'csv (RFC 4180) or parquet (Apache Parquet)',
});
export type ExportFormat = Static<typeof ExportFormatSchema>;
