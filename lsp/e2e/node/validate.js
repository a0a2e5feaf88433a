// Holds a JSON value to a TypeScript type: what the declarations of the protocol do not allow is a problem.
import ts from "typescript";

const { TypeFlags, SymbolFlags } = ts;

/**
 * problems lists what is wrong with a value that came from JSON, each with its place, such as
 * "result[0].label: null is not string". Properties that a type does not have are wrong too, unless it takes any; so is
 * null, where it is not among the types.
 */
export function problems(checker, value, type, path = "") {
  return check(checker, value, type, path, undefined);
}

// check knows beside the type its declaration, which alone tells integers and unsigned ones from other numbers.
function check(checker, value, type, path, declared) {
  if (type.flags & (TypeFlags.Any | TypeFlags.Unknown)) return [];
  if (type.isUnion()) return checkUnion(checker, value, type, path, declared);
  if (type.flags & TypeFlags.Null) return value === null ? [] : wrong(checker, value, type, path);
  if (type.flags & TypeFlags.Undefined) return wrong(checker, value, type, path); // JSON has no such value
  if (type.isLiteral()) return value === type.value ? [] : wrong(checker, value, type, path);
  if (type.flags & TypeFlags.BooleanLiteral) {
    return String(value) === type.intrinsicName && typeof value === "boolean" ? [] : wrong(checker, value, type, path);
  }
  if (type.flags & TypeFlags.StringLike) return typeof value === "string" ? [] : wrong(checker, value, type, path);
  if (type.flags & TypeFlags.NumberLike) return checkNumber(value, path, declared?.getText() ?? "");
  if (type.flags & TypeFlags.NonPrimitive) return isObject(value) ? [] : wrong(checker, value, type, path);
  if (checker.isTupleType(type)) return checkTuple(checker, value, type, path, declared);
  if (checker.isArrayType(type)) return checkArray(checker, value, type, path, declared);
  if (type.flags & (TypeFlags.Object | TypeFlags.Intersection)) return checkObject(checker, value, type, path);
  throw new Error(`${path}: no rule for the type ${checker.typeToString(type)}`);
}

// checkUnion reports on the member that the value comes closest to.
function checkUnion(checker, value, type, path, declared) {
  let closest;
  for (const member of type.types) {
    const found = check(checker, value, member, path, declared);
    if (found.length === 0) return [];
    if (found.every((p) => p.path !== path) && (!closest || found.length < closest.length)) closest = found;
  }
  return closest ?? wrong(checker, value, type, path);
}

// checkNumber holds numbers to the protocol's integers, which are of 32 bits.
function checkNumber(value, path, declared) {
  if (typeof value !== "number") return [problem(path, `${show(value)} is no number`)];
  if (/\bdecimal\b/.test(declared)) return [];
  const least = /\buinteger\b/.test(declared) ? 0 : -(2 ** 31);
  if (Number.isInteger(value) && value >= least && value <= 2 ** 31 - 1) return [];
  return [problem(path, `${value} is no integer from ${least} to 2147483647`)];
}

function checkArray(checker, value, type, path, declared) {
  if (!Array.isArray(value)) return wrong(checker, value, type, path);
  const [item] = checker.getTypeArguments(type);
  return value.flatMap((v, i) => check(checker, v, item, `${path}[${i}]`, declared));
}

function checkTuple(checker, value, type, path, declared) {
  const items = checker.getTypeArguments(type);
  if (!Array.isArray(value) || value.length !== items.length) return wrong(checker, value, type, path);
  return value.flatMap((v, i) => check(checker, v, items[i], `${path}[${i}]`, declared));
}

function checkObject(checker, value, type, path) {
  if (!isObject(value)) return wrong(checker, value, type, path);
  const found = [];
  const properties = new Map(checker.getPropertiesOfType(type).map((p) => [p.name, p]));
  for (const [name, property] of properties) {
    const at = path === "" ? name : `${path}.${name}`;
    if (Object.hasOwn(value, name)) {
      found.push(...check(checker, value[name], checker.getTypeOfSymbol(property), at, property.valueDeclaration?.type));
    } else if (!(property.flags & SymbolFlags.Optional)) {
      found.push(problem(at, "is missing"));
    }
  }
  const others = checker.getIndexInfosOfType(type)[0];
  const anything = !others && properties.size === 0;
  for (const name of Object.keys(value)) {
    if (properties.has(name) || anything) continue;
    const at = path === "" ? name : `${path}.${name}`;
    if (others) found.push(...check(checker, value[name], others.type, at, others.declaration?.type));
    else found.push(problem(at, `${checker.typeToString(type)} has no such property`));
  }
  return found;
}

function isObject(value) {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

function wrong(checker, value, type, path) {
  return [problem(path, `${show(value)} is not ${checker.typeToString(type)}`)];
}

function problem(path, text) {
  return { path, text, toString: () => `${path === "" ? "" : `${path}: `}${text}` };
}

function show(value) {
  const text = JSON.stringify(value);
  return text.length > 60 ? `${text.slice(0, 57)}...` : text;
}
