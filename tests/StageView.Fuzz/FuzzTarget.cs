namespace StageView.Fuzz;

/// <summary>Something that takes bytes from outside: it may refuse them, and must not throw, hang or grow.</summary>
internal sealed record FuzzTarget(IReadOnlyList<byte[]> Seeds, Action<byte[]> Run);
