/** Products for treatments, as the office has them, and writing them. */
import type { ProductBody, ProductRow } from "../../log/products";
import type { Answer } from "../../net/office";
import { book } from "../book.svelte";
import { Sheet } from "../sheet.svelte";

export type Products = readonly ProductRow[];

export function productsSheet(): Sheet<Products> {
  const sheet = new Sheet<Products>("products", fetched);
  void sheet.load();
  return sheet;
}

async function fetched(): Promise<Answer<Products>> {
  const answer = await book.ask<{ items: Products }>("/rows/product");
  return answer.ok ? { ok: true, data: answer.data.items } : answer;
}

export function saveProduct(
  id: string,
  rev: number,
  body: ProductBody,
): Promise<Answer<ProductRow>> {
  return book.tell("PUT", `/rows/product/${encodeURIComponent(id)}`, { rev, body });
}

export function dropProduct(id: string): Promise<Answer<undefined>> {
  return book.tell("DELETE", `/rows/product/${encodeURIComponent(id)}`);
}
