namespace StageView.Ground.Files;

/// <summary>A place that this user, or this machine, can't write to: the question may be right.</summary>
public sealed class CannotWriteException(string path, Exception inner) : IOException($"can't write {path}: {inner.Message}", inner);
