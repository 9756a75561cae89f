/**
 * The tables that hold a study, the same in SQLite and PostgreSQL. A PostgreSQL database can hold
 * many studies, so every table names its study; an SQLite file holds one.
 *
 * Types are those that both databases have: 32 bit whole numbers, doubles (which both keep bit for
 * bit), text. A flag is 0 or 1. Reserves are a JSON list: they are read whole, never searched.
 */

import type { ColumnDefinitionBuilder, Kysely } from 'kysely';

/** Raised when a table changes. */
export const TABLES_VERSION = 1;

export interface StudyTables {
  study_tables: { version: number };
  study: {
    id: number;
    /** SHA-256 of the definition, hexadecimal */
    digest: string;
    name: string;
    /** version of the program that screens it: two versions may differ in the last digits */
    program: string;
    /** `Study` as JSON */
    definition: string;
    block_size: number;
  };
  study_block: { study: number; block: number };
  study_variant: VariantTable;
  /** the variants to prove, as a JSON list; one row a study, once they are chosen */
  study_chosen: { study: number; indices: string };
  study_proof: {
    study: number;
    variant: number;
    reserve: number | null;
    governs: string;
    passes: number;
    reserves: string;
  };
}

export interface VariantTable {
  study: number;
  variant: number;
  mass: number;
  width: number;
  length: number;
  cost: number | null;
  reserve: number | null;
  governs: string;
  passes: number;
  reserves: string;
  fault: string | null;
}

/** Makes the tables that are not there yet. */
export async function createTables(db: Kysely<StudyTables>): Promise<void> {
  const { schema } = db;
  const table = (name: keyof StudyTables) => schema.createTable(name).ifNotExists();
  await table('study_tables').addColumn('version', 'integer', required).execute();
  await table('study')
    .addColumn('id', 'integer', (column) => column.primaryKey().notNull())
    .addColumn('digest', 'text', (column) => column.notNull().unique())
    .addColumn('name', 'text', required)
    .addColumn('program', 'text', required)
    .addColumn('definition', 'text', required)
    .addColumn('block_size', 'integer', required)
    .execute();
  await table('study_block')
    .addColumn('study', 'integer', ofStudy)
    .addColumn('block', 'integer', required)
    .addPrimaryKeyConstraint('study_block_key', ['study', 'block'])
    .execute();
  await table('study_variant')
    .addColumn('study', 'integer', ofStudy)
    .addColumn('variant', 'integer', required)
    .addColumn('mass', 'double precision', required)
    .addColumn('width', 'double precision', required)
    .addColumn('length', 'double precision', required)
    .addColumn('cost', 'double precision')
    .addColumn('reserve', 'double precision')
    .addColumn('governs', 'text', required)
    .addColumn('passes', 'integer', required)
    .addColumn('reserves', 'text', required)
    .addColumn('fault', 'text')
    .addPrimaryKeyConstraint('study_variant_key', ['study', 'variant'])
    .execute();
  await table('study_chosen')
    .addColumn('study', 'integer', (column) => ofStudy(column).primaryKey())
    .addColumn('indices', 'text', required)
    .execute();
  await table('study_proof')
    .addColumn('study', 'integer', ofStudy)
    .addColumn('variant', 'integer', required)
    .addColumn('reserve', 'double precision')
    .addColumn('governs', 'text', required)
    .addColumn('passes', 'integer', required)
    .addColumn('reserves', 'text', required)
    .addPrimaryKeyConstraint('study_proof_key', ['study', 'variant'])
    .execute();
}

function required(column: ColumnDefinitionBuilder): ColumnDefinitionBuilder {
  return column.notNull();
}

function ofStudy(column: ColumnDefinitionBuilder): ColumnDefinitionBuilder {
  return column.notNull().references('study.id');
}
