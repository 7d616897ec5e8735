namespace StageView.Live.Terms;

/// <summary>Follows a fine picture, which takes its time, while it is drawn; called on the thread that waits for it.</summary>
internal interface IDrawWatch
{
    /// <summary>Whether it is still worth its time; otherwise it is given up.</summary>
    bool IsWanted { get; }

    /// <summary>The state that is drawn is still the newest.</summary>
    void StillSo();
}
