using StageView.Live.Terms;

namespace StageView.Live.Server;

/// <summary>What one page has before it: what the house shows, or a source of its own.</summary>
internal sealed class PageSeat(ILiveShow house, string? id) : IDisposable
{
    private volatile ISeat? _own;

    /// <summary>What its page calls it, so that it finds it again; null for a page that doesn't.</summary>
    public string? Id => id;

    /// <summary>Whether a page is there.</summary>
    public bool IsTaken { get; set; }

    /// <summary>When its page left.</summary>
    public long LeftAt { get; set; }

    public bool HasOwn => _own is not null;

    public ISeat Now => _own ?? house;

    /// <summary>Puts a source before it; what it had before is let go.</summary>
    /// <param name="own">Its own, or null for the house's.</param>
    public void Has(ISeat? own)
    {
        var before = _own;
        _own = own;
        if (before != own)
        {
            before?.Dispose();
        }
    }

    public void Dispose() => Has(null);
}
