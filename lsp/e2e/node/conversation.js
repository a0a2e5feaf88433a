// Holds what a client and a server say to each other to the protocol: each message to its type, and each to those that
// came before it.
import { readProtocol } from "./methods.js";
import { problems } from "./validate.js";
import { misplaced } from "./places.js";

const protocol = readProtocol();

/** Conversation is all that one client and one server have said. What broke the protocol is in problems. */
export class Conversation {
  problems = [];
  messages = 0;
  methods = new Set(); // that were called by either side

  #asked = { client: new Map(), server: new Map() };
  #progress = new Map(); // where a token came from: "work" or a method's partial results
  #documents;

  /** documents gives the text of an open document by its URI, which ranges must lie in. */
  constructor(documents) {
    this.#documents = documents;
  }

  /** said takes a message from one side, "client" or "server", as it goes over the wire. */
  said(side, message) {
    this.messages++;
    const found = this.#judge(side, message);
    this.problems.push(...found.map((p) => `${side} ${message.method ?? "answer"}: ${p}`));
    return found;
  }

  /** unanswered lists the requests of one side that have no answer yet. */
  unanswered(side) {
    return [...this.#asked[side].values()].map((asked) => asked.name);
  }

  #judge(side, message) {
    if (message === null || typeof message !== "object") return ["is no message"];
    if ("method" in message) return this.#judgeCall(side, message);
    return this.#judgeAnswer(side, message);
  }

  #judgeCall(side, message) {
    this.methods.add(message.method);
    const isRequest = "id" in message;
    const found = this.#holds(message, isRequest ? "Request" : "Notification");
    const method = protocol.methods.get(message.method);
    if (!method) return [...found, "the protocol has no such method"];
    if (method.request !== isRequest) found.push(`is a ${method.request ? "request" : "notification"}`);
    if (method.direction !== "both" && !method.direction.startsWith(side)) found.push(`is not the ${side}'s to send`);
    found.push(...this.#holdsPart(message, "params", method.params));
    if (message.method === "client/registerCapability") found.push(...this.#registrations(message.params));
    if (message.method === "$/progress") found.push(...this.#progressed(message.params));
    if (message.method === "window/workDoneProgress/create") this.#progress.set(message.params.token, "work");
    if (message.method === "textDocument/publishDiagnostics") found.push(...this.#published(message.params));
    if (isRequest) {
      const asked = this.#asked[side];
      if (asked.has(message.id)) found.push(`the id ${message.id} is in use`);
      const document = this.#documents(message.params?.textDocument?.uri ?? message.params?.item?.uri);
      asked.set(message.id, { name: message.method, method, document, version: document?.version });
      if (message.params?.workDoneToken !== undefined) this.#progress.set(message.params.workDoneToken, "work");
      if (message.params?.partialResultToken !== undefined) this.#progress.set(message.params.partialResultToken, method);
    }
    return found;
  }

  #judgeAnswer(side, message) {
    const failed = "error" in message;
    const found = this.#holds(message, failed ? "Failure" : "Success");
    const asked = this.#asked[side === "client" ? "server" : "client"];
    const question = asked.get(message.id);
    if (!question) return failed && message.id === null ? found : [...found, `nothing with the id ${message.id} was asked`];
    asked.delete(message.id);
    if (failed) return found;
    const wrong = question.method.result
      ? problems(protocol.checker, message.result, question.method.result, "result")
      : message.result === null ? [] : ["result: must be null"];
    if (question.document && question.document.version === question.version) {
      wrong.push(...misplaced(message.result, question.document, this.#documents));
    }
    return [...found, ...wrong].map((p) => `to ${question.name}: ${p}`);
  }

  #holds(message, name) {
    return problems(protocol.checker, message, protocol.type(name));
  }

  #holdsPart(message, name, type) {
    if (type) return name in message ? problems(protocol.checker, message[name], type, name) : [`${name}: is missing`];
    return name in message ? [`${name}: there are none`] : [];
  }

  #registrations(params) {
    return params.registrations.flatMap((registration, i) => {
      const at = `params.registrations[${i}]`;
      const method = protocol.methods.get(registration.method);
      if (!method) return [`${at}: the protocol has no method ${registration.method}`];
      if (!("registerOptions" in registration)) return [];
      if (!method.options) return [`${at}: ${registration.method} has no options`];
      return problems(protocol.checker, registration.registerOptions, method.options, `${at}.registerOptions`);
    });
  }

  #progressed({ token, value }) {
    const of = this.#progress.get(token);
    if (of === undefined) return [`nobody made the token ${token}`];
    if (of !== "work") return problems(protocol.checker, value, of.result, "params.value");
    const kinds = { begin: "WorkDoneProgressBegin", report: "WorkDoneProgressReport", end: "WorkDoneProgressEnd" };
    const type = kinds[value.kind];
    return type ? problems(protocol.checker, value, protocol.type(type), "params.value") : [`${value.kind} is no progress`];
  }

  #published(params) {
    const document = this.#documents(params.uri);
    if (!document || document.version !== params.version) return [];
    return misplaced(params.diagnostics, document, this.#documents);
  }
}
