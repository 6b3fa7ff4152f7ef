"""The rules of the craft as pure functions of numbers: air, paint, sizes, moths, cold, heat, comb, labour, cautions."""
