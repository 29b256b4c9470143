// A fault of an order in words.

export const inWords = (fault) => [fault.message, fault.remedy].filter(Boolean).join(" ");
