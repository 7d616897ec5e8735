namespace StageView.Snapshot.Images;

/// <summary>
/// Arrays of pixels used again: a frame of 1920x1080 is 8 MB, and a set of a thousand pairs would otherwise ask for some 30 GB in turn. What isn't
/// given back is collected as any array.
/// </summary>
internal static class FrameBuffers
{
    private const int Most = 12;
    private const int Least = 1 << 16;
    private static readonly Lock Gate = new();
    private static readonly List<byte[]> Free = [];

    /// <summary>An array of exactly that length, with whatever was in it.</summary>
    public static byte[] Rent(int length)
    {
        lock (Gate)
        {
            var at = Free.FindLastIndex(b => b.Length == length);
            if (at >= 0)
            {
                var found = Free[at];
                Free.RemoveAt(at);
                return found;
            }
        }

        return GC.AllocateUninitializedArray<byte>(length);
    }

    /// <summary>Gives an array back; nobody may hold it any more.</summary>
    public static void Return(byte[]? buffer)
    {
        if (buffer is null || buffer.Length < Least)
        {
            return;
        }

        lock (Gate)
        {
            if (Free.Count == Most)
            {
                // Another size by now, or more at once than a set needs: the oldest goes.
                Free.RemoveAt(0);
            }

            Free.Add(buffer);
        }
    }
}
