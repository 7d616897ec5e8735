namespace StageView.Rig.Source;

internal enum SourceKind
{
    Null,
    Flag,
    Number,
    Text,
    List,
    Object,
}

internal readonly record struct SourceMember(string Key, int Line, SourceNode Value);

/// <summary>A JSON value that knows the place it came from.</summary>
internal sealed class SourceNode
{
    private readonly SourceNode? _parent;
    private readonly string? _key;
    private readonly int _item;
    private List<SourceMember>? _members;
    private List<SourceNode>? _items;

    public SourceNode(string file, int line, SourceKind kind, SourceNode? parent, string? key, int item)
    {
        File = file;
        Line = line;
        Kind = kind;
        _parent = parent;
        _key = key;
        _item = item;
    }

    public string File { get; }

    /// <summary>From 1.</summary>
    public int Line { get; }

    public SourceKind Kind { get; }

    public string Text { get; init; } = "";

    public double Number { get; init; }

    public bool Flag { get; init; }

    /// <summary>Of an object, in the order of the file.</summary>
    public IReadOnlyList<SourceMember> Members => _members ?? (IReadOnlyList<SourceMember>)[];

    /// <summary>Of a list.</summary>
    public IReadOnlyList<SourceNode> Items => _items ?? (IReadOnlyList<SourceNode>)[];

    /// <summary>Such as <c>$.hangs[3].row.from</c>.</summary>
    public SourcePath Path => _parent is null ? SourcePath.Top : _key is null ? _parent.Path.Item(_item) : _parent.Path.Key(_key);

    /// <summary>The value's bytes in the file.</summary>
    public SourceSpan Span { get; set; }

    public SourcePlace Place => new(File, Line, Path, Span);

    public SourceNode? Get(string key)
    {
        foreach (var m in Members)
        {
            if (m.Key == key)
            {
                return m.Value.Kind == SourceKind.Null ? null : m.Value;
            }
        }

        return null;
    }

    public void Add(SourceMember member) => (_members ??= []).Add(member);

    public void Add(SourceNode item) => (_items ??= []).Add(item);

    public bool Has(string key) => Get(key) is not null;
}
