namespace StageView.Render.Resources;

/// <summary>A list whose array is kept from frame to frame.</summary>
internal sealed class Growing<T>
    where T : struct
{
    private T[] _items = [];

    public int Count { get; private set; }

    public Span<T> Span => _items.AsSpan(0, Count);

    public void Clear() => Count = 0;

    /// <summary>Forgets all but the first items.</summary>
    public void Truncate(int count) => Count = Math.Min(Count, count);

    public void Add(T item)
    {
        if (Count == _items.Length)
        {
            Array.Resize(ref _items, Math.Max(64, Count * 2));
        }

        _items[Count++] = item;
    }

    public void Add(ReadOnlySpan<T> items) => items.CopyTo(AddMany(items.Length));

    /// <summary>Room for some more, which holds what was there before; valid until the next item is added.</summary>
    public Span<T> AddMany(int count)
    {
        var first = Count;
        if (first + count > _items.Length)
        {
            Array.Resize(ref _items, Math.Max(Math.Max(64, _items.Length * 2), first + count));
        }

        Count += count;
        return _items.AsSpan(first, count);
    }
}
