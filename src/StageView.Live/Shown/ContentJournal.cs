using StageView.Live.Night;

namespace StageView.Live.Shown;

/// <summary>Tells the journal once of content that is lost, and when it is back.</summary>
internal sealed class ContentJournal(NightJournal journal)
{
    private readonly Dictionary<string, string> _told = [];

    /// <summary>Tells what is different since the last call. One caller at a time.</summary>
    public void Tell(IReadOnlyList<(string Name, string? Trouble)> contents)
    {
        foreach (var (name, trouble) in contents)
        {
            var before = _told.GetValueOrDefault(name);
            if (trouble is not null && trouble != before)
            {
                _told[name] = trouble;
                journal.Say("content", $"\"{name}\" shows nothing: {trouble}");
            }
            else if (trouble is null && before is not null)
            {
                _told.Remove(name);
                journal.Say("content", $"\"{name}\" can be read again");
            }
        }

        foreach (var gone in _told.Keys.Except(contents.Select(c => c.Name)).ToList())
        {
            _told.Remove(gone);
        }
    }
}
