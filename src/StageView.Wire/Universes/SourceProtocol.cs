namespace StageView.Wire.Universes;

/// <summary>What a source speaks.</summary>
public enum SourceProtocol
{
    E131,
    ArtNet,
}
