// Requests to the server of this page. Everything lives under the address the
// page was opened with, so all addresses are relative.

import type { Diagnostic, Doc } from "./types";

/** ApiError is an answer that refuses; code is the server's word for it. */
export class ApiError extends Error {
  constructor(
    readonly status: number,
    readonly code: string,
    message: string,
    readonly body: { doc?: Doc; disk_text?: string; diagnostics?: Diagnostic[] } = {},
  ) {
    super(message);
  }
}

/** Unreachable means that no answer came at all: the server is gone. */
export class Unreachable extends Error {}

export type Query = Record<string, string | number | boolean | undefined>;

/** address builds the relative address of an API call. */
export function address(call: string, query: Query = {}): string {
  const pairs = Object.entries(query).filter(([, v]) => v !== undefined);
  const text = new URLSearchParams(pairs.map(([k, v]) => [k, String(v)])).toString();
  return `./api/${call}${text ? `?${text}` : ""}`;
}

export function get<T>(call: string, query: Query = {}, signal?: AbortSignal): Promise<T> {
  return send<T>("GET", address(call, query), undefined, signal);
}

export function post<T>(call: string, body: unknown, signal?: AbortSignal): Promise<T> {
  return send<T>("POST", address(call), body, signal);
}

export function remove<T>(call: string, query: Query = {}): Promise<T> {
  return send<T>("DELETE", address(call, query), undefined);
}

async function send<T>(method: string, url: string, body: unknown, signal?: AbortSignal): Promise<T> {
  const init: RequestInit = { method, headers: { Accept: "application/json" }, credentials: "omit", cache: "no-store" };
  if (signal) init.signal = signal;
  if (method !== "GET") {
    init.headers = { ...init.headers, "Content-Type": "application/json", "X-Spanwright": "1" };
    if (body !== undefined) init.body = JSON.stringify(body);
  }
  let answer: Response;
  try {
    answer = await fetch(url, init);
  } catch (cause) {
    if (signal?.aborted) throw cause;
    throw new Unreachable("the program does not answer");
  }
  if (answer.status === 204) return undefined as T;
  let data: unknown;
  try {
    data = await answer.json();
  } catch {
    throw new ApiError(answer.status, "fault", `the program answered ${answer.status} without content`);
  }
  if (!answer.ok) throw refusal(answer.status, data);
  return data as T;
}

function refusal(status: number, data: unknown): ApiError {
  const body = (data ?? {}) as { error?: { code?: string; message?: string }; doc?: Doc; diagnostics?: Diagnostic[] };
  return new ApiError(status, body.error?.code ?? "fault", body.error?.message ?? `answer ${status}`, body);
}
