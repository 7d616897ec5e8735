namespace StageView.Snapshot;

/// <summary>A question that can't be answered as asked: the message says what, where, why, and what to do.</summary>
public sealed class SnapshotException : Exception
{
    public SnapshotException(string message)
        : base(message)
    {
    }

    public SnapshotException(string message, Exception inner)
        : base(message, inner)
    {
    }
}
