// The part of idb.js that lib/store.js uses, written by us for the type checker; nothing serves or runs it.
export interface Objects {
  get(key: string): Promise<any>;
  put(value: any, key: string): Promise<unknown>;
  delete(key: string): Promise<unknown>;
  getAll(): Promise<any[]>;
  getAllKeys(): Promise<any[]>;
}
export interface Transaction {
  objectStore(name: string): Objects;
  abort(): void;
  done: Promise<void>;
}
export interface Database {
  transaction(names: string[], mode: "readonly" | "readwrite", options?: { durability: string }): Transaction;
  createObjectStore(name: string): any;
  close(): void;
}
export interface Callbacks {
  upgrade(db: Database, from: number, to: number | null, tx: Transaction): void;
  blocked(): void;
  blocking(from: number, to: number | null, event: Event): void;
  terminated(): void;
}
export function openDB(name: string, version: number, callbacks: Callbacks): Promise<Database>;
