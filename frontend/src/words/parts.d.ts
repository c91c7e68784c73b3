// The two parts of a language, which the build cuts (`tools/words.ts`).
declare module "*.json?first" {
  const catalogue: import("./catalogue").Catalogue;
  export default catalogue;
}

declare module "*.json?rest" {
  const catalogue: import("./catalogue").Catalogue;
  export default catalogue;
}
