using System.Numerics;

namespace StageView.Live.Terms;

/// <summary>The show as the page and the window see it; itself the house's seat.</summary>
internal interface ILiveShow : ISeat
{
    /// <summary>What changes with the rig file only; <see cref="RigCard.Version"/> grows with every reload.</summary>
    RigCard Rig { get; }

    /// <summary>Notes and cameras, for all devices.</summary>
    INotes Notes { get; }

    /// <summary>A seat apart from the house, which shows the network until it is told otherwise; whoever asked for it disposes it.</summary>
    ISeat Apart();

    /// <summary>Names of the fixtures that fit a search: name, number, group, universe or address.</summary>
    Reply Find(string text);

    Reply Record(bool on);

    /// <summary>Saves minutes that were frozen among the recordings.</summary>
    Reply SaveLast(string name);

    /// <summary>Writes a new position into the rig file.</summary>
    Reply Move(string fixture, Vector3 position);

    Reply Undo();

    Reply Redo();

    /// <summary>Captures and looks that can be opened.</summary>
    Reply Shelves();

    /// <summary>Fetches a commit of the group and tells, with the state, what it would change.</summary>
    /// <param name="commit">Its name in the state.</param>
    Reply LookAtCommit(string commit);

    /// <summary>Makes a commit part of the rig that was looked at.</summary>
    Reply TakeCommit(string commit);

    /// <summary>Commits the rig to the group.</summary>
    Reply CommitRig(string words);

    /// <summary>Positions of the show in another venue, the worst first.</summary>
    /// <param name="from">Place of the first that is wanted.</param>
    Reply RefocusRows(int from);

    /// <summary>What was ticked as focused since one state of the ticks.</summary>
    Reply RefocusTicks(int since);

    /// <summary>Ticks a position as focused, or all of a fixture that somebody has to do something about; or takes that back.</summary>
    /// <param name="version">Of the answer that was looked at.</param>
    /// <param name="row">Place of the position in it, or null for all of a fixture.</param>
    /// <param name="by">Who says so; may be empty.</param>
    Reply TickFocused(int version, int? row, string? fixture, bool on, string by);

    /// <summary>Starts or stops measuring with a marker universe.</summary>
    Reply Measure(bool on);
}
